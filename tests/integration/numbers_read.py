"""Reads the numbers of a server with Prometheus's own reader and holds the families against those expected."""
import sys

from prometheus_client.parser import text_string_to_metric_families

text = open(sys.argv[1], encoding="utf-8").read()
# The reader leaves the ending of a counter out of its family's name.
ending = {"counter": "_total"}
read = {f"{family.name}{ending.get(family.type, '')} {family.type}" for family in text_string_to_metric_families(text)}
expected = set(open(sys.argv[2], encoding="utf-8").read().split("\n"))
assert read == expected, (read - expected, expected - read)
