"""What a command ends with, for whoever runs it from another program."""

DONE = 0
BAD_NEWS = 1  # done, and the answer is bad news: a list that does not hold, a failed test
NOT_USABLE = 2  # the input cannot be used: the sentence says what to mend
