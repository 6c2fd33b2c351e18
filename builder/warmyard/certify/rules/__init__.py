"""One judge: pure functions over what the ledger says."""
