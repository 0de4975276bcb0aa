"""What a season needs: seed, bags, hours, by cohort and by week."""
