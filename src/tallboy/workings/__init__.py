"""The sums as a person asks them: inputs with units, the result with its spread, the working line by line, sources and cautions.

`all_workings()` names them; `asking.ask` works one out from what was typed.
"""
