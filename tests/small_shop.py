"""A small invented shop with one maker, and a stool that is made there."""

SHOP = """\
name = "Thistle Lane Joinery"
timezone = "America/Denver"

[hours]
monday    = ["08:00-12:00", "13:00-17:00"]
tuesday   = ["08:00-12:00", "13:00-17:00"]
wednesday = ["08:00-12:00", "13:00-17:00"]
thursday  = ["08:00-12:00", "13:00-17:00"]
friday    = ["08:00-12:00"]

[[stations]]
id = "bench"

[[gear]]
id = "long-clamps"
count = 8
"""

STOOL = """\
title   = "Milking stool"
customer = "Mrs Aldous"
promise = 2026-12-03

[[parts]]
id = "seat"

  [[parts.steps]]
  id       = "glue"
  name     = "Glue up the seat"
  hands_on = "1h"
  stations = ["bench"]
  gear     = { long-clamps = 6 }
  waits    = [{ name = "in clamps", takes = "2h", keeps = "all" }]

  [[parts.steps]]
  id       = "shape"
  name     = "Shape the seat"
  hands_on = "3h"

  [[parts.steps]]
  id       = "oil"
  hands_on = "30m"
  within   = "20h"
  waits    = [
    { name = "dries", takes = "24h" },
    { name = "full cure", takes = "7d", informs = true },
  ]

[[steps]]
id       = "deliver"
hands_on = "1h"
"""
