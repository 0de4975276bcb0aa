"""What a season taught: plan against record, hours, lamps, slips and their causes, and what to carry forward."""
