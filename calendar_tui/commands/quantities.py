"""The command that tells what a season needs: plants, seeds, trays, lamps and all else; nothing is written."""

from __future__ import annotations

import argparse

from calendar_tui.commands.command_input import (
    emit,
    planned_season,
    print_csv,
    print_json,
    refuse_two_forms,
)
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.refusal import Refusal


def quantities(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.words.quantities_text import quantities_data, quantities_text
    from calendar_tui.planning.needs import sums as quantity_sums

    refuse_two_forms(args, "csv", "json")
    opened, plan, words = planned_season(args)
    if not plan.timelines:
        from calendar_tui.handing_on.words.first_steps import first_command

        raise Refusal(first_command(plan.season, str(opened.path)))
    names = list(dict.fromkeys(find_cohort(plan.season, word).id for word in words))
    needs = quantity_sums.quantities(plan, opened.data, names, args.acres)
    if args.json:
        print_json(quantities_data(needs))
    elif args.csv:
        from calendar_tui.handing_on.tables.quantity_rows import COLUMNS, quantity_rows

        print_csv(COLUMNS, quantity_rows(needs))
    else:
        emit(quantities_text(needs))
    return 0
