"""The book of records: quotes with their costs and finished jobs, in one file of the shop's."""
