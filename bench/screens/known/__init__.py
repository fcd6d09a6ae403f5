"""What is known and what is one's own: targets, reagents, cards, choosing, first aid."""
