"""How shopday says things: one way to say a time, a date, a length and a name. Imports nothing of shopday."""
