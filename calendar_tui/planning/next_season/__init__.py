"""Next year's season made of one that is there: what is carried over, what is drawn and worked out anew, what stays behind."""
