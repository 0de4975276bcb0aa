"""Why a stage falls on its date, day by day."""
