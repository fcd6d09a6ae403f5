"""What many screens show: things and records in words, a declared step's form, gates, checks, cautions, codes."""
