"""The bags of a week, recorded, sent, lost and cut again."""
