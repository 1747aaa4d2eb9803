"""Pictures: functions of plain values that draw on given axes, each with its twin in words.

The same function serves a notebook, the client's page, paper and a test. `picture` tells
how one is made; the others are named for what they show.
"""
