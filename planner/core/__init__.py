"""Clock, spans, rounding, problems and progress: what every other layer may use."""
