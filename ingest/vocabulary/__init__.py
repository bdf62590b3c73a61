"""Words of ten languages for the columns, clubs, sides and missing values of exports, as data."""
