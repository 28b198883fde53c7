"""Commands about the finished part and the parts that go with it."""
