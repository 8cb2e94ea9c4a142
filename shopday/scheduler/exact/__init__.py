"""The exact engine: an optional second search by OR-Tools CP-SAT, which can also prove that no schedule is better.

It runs in a process of its own. Nothing outside this package imports `ortools`; the code that starts the process
asks `shopday.scheduler.exact_engine` whether it is installed.
"""
