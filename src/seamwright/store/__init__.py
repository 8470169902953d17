"""What is kept between days: jobs, rack, shop, measurements."""
