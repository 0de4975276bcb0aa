"""Calendar files for other programs, by RFC 5545."""
