"""Where on the plants a bag is cut, and of how many dates a trend of its results is made."""

TOP = "top"
POSITIONS = (TOP, "middle", "bottom")
# A curve that rises and falls needs as many; of fewer there are points only, and at just so many a trend is provisional.
LEAST_DATES = 3
