"""The harvest and the dryer on the screen: passes and batches, recorded in forms."""
