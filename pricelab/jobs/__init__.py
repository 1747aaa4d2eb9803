"""Finished jobs estimated, judged and learned from; quotes won and lost."""
