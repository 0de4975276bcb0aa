"""What should happen when, and why: light by place, timelines, tasks, clashes, re-planning."""
