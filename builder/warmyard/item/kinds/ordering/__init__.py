"""Put the steps of a procedure into a valid order."""
