"""Which bags are to be cut when, which of them there are, and which to keep where money or the laboratory is short."""
