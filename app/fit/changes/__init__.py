"""Changes that may clear a finding, tried before anybody hears of them."""
