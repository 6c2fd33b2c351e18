"""Which of several things does not belong to the others: a kind of item that the house does not have."""
