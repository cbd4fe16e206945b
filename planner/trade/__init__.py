"""What the trade knows: quantities, layers, rates, durations, and the mixes a zone may use."""
