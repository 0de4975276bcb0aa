"""The languages there are: a .po file each, in a folder of the person's own or come with the program.

A file of one's own with the same name goes before the one that came with the program.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from calendar_tui.language.catalogue import Catalogue, read_catalogue
from calendar_tui.language.po import PoError
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.own.folders import CONFIG, own_folder
from calendar_tui.storage.problems import FileProblem, SeasonFileError

SHIPPED = Path(__file__).parents[1] / "language"
ENGLISH = "en"
# A larger file is no catalogue.
MOST_BYTES = 2_000_000
# What a locale is called that has no language (POSIX).
_NO_LANGUAGE = ("C", "POSIX")


def own_languages() -> Path:
    """The folder of one's own catalogues, which may not be there."""
    return own_folder(CONFIG) / "languages"


def languages() -> tuple[str, ...]:
    """The codes of all languages, English too, sorted."""
    files = [file for folder in (own_languages(), SHIPPED) for file in folder.glob("*.po")]
    return tuple(sorted({ENGLISH, *(file.stem for file in files)}))


def find_language(code: str) -> Path | None:
    """The file of a language; None for one that has none, and for English, which needs none.

    Of "es_MX" that of "es" where it has none of its own.
    """
    written = code.replace("-", "_")
    whole, _, country = written.partition("_")
    names = [f"{whole.lower()}_{country.upper()}"] if country else []
    for name in (*names, whole.lower()):
        for folder in (own_languages(), SHIPPED):
            if name != ENGLISH and (file := folder / f"{name}.po").is_file():
                return file
    return None


def need_language(code: str, flag: str = "") -> Path | None:
    """The file of a language that is asked for; None for English. Raises Refusal for one that there is not."""
    file = find_language(code)
    if file is None and code.replace("-", "_").partition("_")[0].lower() != ENGLISH:
        known = choices(code, languages(), "Languages")
        raise Refusal(
            f'{flag}"{code}" is no language that is here{known}; docs/languages.md says how to add one'
        )
    return file


def of_locale(locale: str) -> Path | None:
    """The file of the language of a locale such as es_UY.UTF-8; None where it is English or not here."""
    code = locale.partition(".")[0].partition("@")[0]
    return None if not code or code in _NO_LANGUAGE else find_language(code)


def crew_file(own: str, of_season: str, locale: str) -> Path | None:
    """The file of the language in which a person is shown the crew's work; None for English, and for one that is not here.

    own: the code that is set for the person, of_season: that of the season, "" where it is not set.
    """
    code = own or of_season
    return find_language(code) if code else of_locale(locale)


@cache
def load_language(file: Path) -> Catalogue:
    """The language of a file. Raises SeasonFileError where it cannot be read or is no catalogue."""
    try:
        if file.stat().st_size > MOST_BYTES:
            raise _refused(file, None, f"is larger than {MOST_BYTES // 1000} kB, and so no catalogue")
        return read_catalogue(file.stem, file.read_bytes().decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise _refused(file, line, "these characters are not UTF-8; save the file as UTF-8 text") from None
    except OSError as error:
        raise _refused(file, None, f"cannot be read: {error.strerror}") from error
    except PoError as error:
        raise _refused(file, error.line, str(error)) from error


def faults(file: Path) -> tuple[FileProblem, ...]:
    """The messages of a language that are left in English, since they do not fit the program's."""
    return tuple(FileProblem(str(file), one.line, one.message) for one in load_language(file).wrong)


def _refused(file: Path, line: int | None, message: str) -> SeasonFileError:
    return SeasonFileError([FileProblem(str(file), line, message)])
