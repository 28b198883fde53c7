"""Words about finished parts and the parts that go with them."""
