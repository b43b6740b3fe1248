"""Where forecasts come from: the network client, and the invented weather of the demonstration."""
