"""The exact engine: an optional second search by OR-Tools CP-SAT, which can also prove that nothing better exists.

It runs in a process of its own. Nothing outside this package imports `ortools`; what starts the process asks
`shopday.scheduler.exact_engine` whether it is there.
"""
