"""The physics of the lamp circuit: pure functions on plain numbers, SI inside (temperatures in degrees Celsius)."""
