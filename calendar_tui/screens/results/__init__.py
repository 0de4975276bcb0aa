"""What laboratories found, on the screen: due, in, kept aside; typed by hand, or a laboratory's file taken in."""
