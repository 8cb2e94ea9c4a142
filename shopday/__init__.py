"""shopday: what can I work on today, when could it be delivered, and what does one more pass do?"""

__version__ = "0.1.0"
