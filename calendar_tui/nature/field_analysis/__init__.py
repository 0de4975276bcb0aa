"""What the numbers of a field trial show, by its design: means with their error, tests, differences, the response to a level."""
