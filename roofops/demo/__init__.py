"""The invented contractor: data that load in seconds, dated around the day on which they are loaded."""
