"""Build to Report: rules in their guard, waivers, order. Knows no plugin manager."""
