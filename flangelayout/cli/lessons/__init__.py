"""Commands that teach: charts and exercises."""
