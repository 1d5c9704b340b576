"""Kills, full disks, damaged files and clocks put back: what a nursery file is put through, and what must still be true of it then.

The tests of this folder run a few short rounds; `python tests/faults/longer.py MINUTES` goes on for longer and prints a table.
"""
