"""The local page: a thin, stateless face of the same code that the command line calls.

The whole job stands in the address of the page, so nothing is kept between two requests. Every number and
every picture comes from ``job``, ``survey``, ``packet`` and the SVG writer.
"""
