"""Any record and any thing: shown, corrected, withdrawn, lost, closed."""
