"""The recipe as frozen values: no input, no output, no judgement."""
