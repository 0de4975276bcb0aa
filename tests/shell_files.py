"""Makes what shells take up of the table of commands, the completion scripts and the manual: python -m tests.shell_files."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

from calendar_tui.cli import CANDIDATES
from calendar_tui.commands.candidates import SHELLS, forms_of, is_offered
from calendar_tui.commands.parsing import HELP, PROGRAM, parser_of
from calendar_tui.commands.shell_files import FOLDER, MANUAL, SCRIPTS
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.word_forms import tokens_of
from tests.manual_page import manual_page

# A function of each script asks the program itself for names, and for files where a word may be one. By its name bash's
# script knows that what it gives may be files.
FUNCTION = "_calendar_tui_names_or_files"
ASKING = {"bash": FUNCTION, "zsh": FUNCTION, "fish": f"({FUNCTION})"}
# The words of the line up to the cursor go to the program that is typed, which need not be on the PATH.
PREAMBLES = {
    "bash": f"""\
{FUNCTION}() {{
  local name what
  while IFS=$'\\t' read -r name what; do
    printf '%s\\n' "$name"
  done < <("${{COMP_WORDS[0]/#\\~/$HOME}}" {CANDIDATES} "${{COMP_WORDS[@]:1:COMP_CWORD}}" 2>/dev/null)
}}
""",
    "zsh": f"""\
{FUNCTION}() {{
  local -a typed lines names told folders
  local line
  typed=("${{(@Q)${{(z)LBUFFER}}}}")
  # What is begun is the last of the words, and empty behind a blank.
  [[ $LBUFFER == *[[:space:]] ]] && typed+=("")
  lines=("${{(@f)$(${{~typed[1]}} {CANDIDATES} "${{(@)typed[2,-1]}}" 2>/dev/null)}}")
  for line in $lines; do
    if [[ $line == */ ]]; then
      folders+=("$line")
    else
      names+=("${{line%%$'\\t'*}}")
      told+=("${{line/$'\\t'/  }}")
    fi
  done
  (( $#names )) && compadd -l -d told -a names
  (( $#folders )) && compadd -S '' -a folders
  (( $#names + $#folders ))
}}
""",
    "fish": f"""\
function {FUNCTION}
  set -l typed (commandline -opc)
  command -q $typed[1]; and $typed[1] {CANDIDATES} $typed[2..] (commandline -ct) 2>/dev/null
end
""",
}


def files() -> Iterator[tuple[str, str]]:
    """Each file's name and its text."""
    for shell in SHELLS:
        yield SCRIPTS[shell], script(shell)
    yield MANUAL, manual_page()


def script(shell: str) -> str:
    import shtab

    text = shtab.complete(_program(), shell=shell, root_prefix="calendar_tui", preamble=PREAMBLES)
    return _MENDED[shell](text)


def _zsh(text: str) -> str:
    """As it comes, only the first of several words would be completed, and without a command no file."""
    commands = "_describe 'calendar-tui commands' _commands"
    return text.replace('"(*)::', '"*:').replace(commands, f"{commands}\n  {FUNCTION}")


def _fish(text: str) -> str:
    """As it comes, a name without a description of its own would have the help of all words."""
    return re.sub(rf'( -ka "\({FUNCTION}\)") -d .*$', r"\1", text, flags=re.MULTILINE)


_MENDED = {"bash": str, "zsh": _zsh, "fish": _fish}


def _program() -> argparse.ArgumentParser:
    """A parser with all commands as parsers below it, as shtab takes them; the program itself has but one for each."""
    program = argparse.ArgumentParser(prog=PROGRAM, description=COMMANDS[""].summary)
    _take(program, "", [a for a in parser_of("", COMMANDS)._actions if a.option_strings])
    commands = program.add_subparsers(metavar="COMMAND")
    for name, command in COMMANDS.items():
        if name:
            parser = commands.add_parser(name, help=command.summary, description=command.summary)
            _take(parser, name, parser_of(name, COMMANDS)._actions)
    text = "what a command does, its words and options"
    helped = commands.add_parser(HELP, help=text, description=text)
    helped.add_argument("command", nargs="?", choices=[name for name in COMMANDS if name], help="a command")
    return program


def _take(parser: argparse.ArgumentParser, name: str, actions: list[argparse.Action]) -> None:
    """Give a parser these actions, each with the function that offers what it takes."""
    for action in actions:
        offered = any(is_offered(token.word) for form in forms_of(name) for token in tokens_of(form))
        if "--help" in action.option_strings or (action.dest == "words" and not offered):
            continue
        if action.dest == "words" or (not action.choices and is_offered(str(action.metavar))):
            action.complete = ASKING  # type: ignore[attr-defined]
        parser._add_action(action)


if __name__ == "__main__":
    for file, text in files():
        (FOLDER / file).write_text(text, encoding="utf-8")
        print(FOLDER / file)
