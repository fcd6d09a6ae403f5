"""What every screen uses: reading a form, showing a page, recording, gates, words, codes, who is at the door."""
