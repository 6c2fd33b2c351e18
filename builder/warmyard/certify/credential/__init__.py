"""What is handed out and can be verified by strangers."""
