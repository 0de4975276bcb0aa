"""What sprays close: places until an instant, and the crop until a first day to cut."""
