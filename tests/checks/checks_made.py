"""One published check as a file's text, to be changed by tests."""

CHECK = """
[[checks]]
of = "air.dew_point"
given = { celsius = 20, relative_humidity = 50 }
expected = 9.27
tolerance = 0.1
unit = "°C"
source = "ashrae-fundamentals"
how = "computed"
note = "psychrolib 2.5.0"
"""
