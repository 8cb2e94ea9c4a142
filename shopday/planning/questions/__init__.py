"""One question a module, answered from a plan."""
