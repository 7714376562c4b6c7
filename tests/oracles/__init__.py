"""Second opinions: the same results computed in other ways, by plain code or by general-purpose libraries."""
