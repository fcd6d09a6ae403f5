"""What every page goes through: who asks and by which channel, forms and their fields, pages, records, answers."""
