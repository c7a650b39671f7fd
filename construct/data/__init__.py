"""What ships: bench levels and tool limits, each value with where it comes from."""
