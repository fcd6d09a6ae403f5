"""After the fire: opened, washed, ground, brushed out, judged; and the waste."""
