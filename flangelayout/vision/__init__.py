"""From photos of cards on a flange, or a scan of a gasket, to where its holes are: gray arrays in, numbers out.

Not yet tried on real flanges: everything here was measured on rendered pictures. The caliper decides.
"""
