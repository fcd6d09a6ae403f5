"""What is printed, and what comes back from paper."""
