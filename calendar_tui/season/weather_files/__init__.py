"""Daily and hourly temperatures in the files that weather services and loggers write: text in, days in degrees C out."""
