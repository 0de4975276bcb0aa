"""The full screen: draws, asks, hands edits down. Decides nothing."""
