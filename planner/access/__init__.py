"""When each place can be worked: water levels, closures, shifts and the windows they leave."""
