"""What a change brings: slips, outages, ticks, chores, varieties, shown before they are saved."""
