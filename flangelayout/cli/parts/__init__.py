"""Commands about the finished part and the parts that go with it."""

BOXES_HELP = (
    'What stands in the boxes of the form, in order (- for an empty one) or by number: "1=68.8 2=162.1"; two holes '
    "without a box by theirs: 5-8=251.7."
)
