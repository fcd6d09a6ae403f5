"""Tags, load cards, run sheets: content, then HTML, then PDF."""
