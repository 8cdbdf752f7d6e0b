"""Tests of Trialbench, a folder a room; catalogue, screens and benchmarks are run as modules."""
