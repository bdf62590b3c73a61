-- Question: which straight line runs through each series of points, and how well?
-- Grain: one row per series of the view $points (columns series, x, y); rows without x or y do not
-- count. All sums are about the means.
SELECT
    series,
    regr_count(y, x) AS n,
    regr_intercept(y, x) AS level,
    regr_slope(y, x) AS slope,
    regr_avgx(y, x) AS mean_x,
    regr_avgy(y, x) AS mean_y,
    regr_sxx(y, x) AS sxx,
    regr_sxy(y, x) AS sxy,
    regr_syy(y, x) AS syy,
    regr_r2(y, x) AS r_squared,
    stddev_samp(y) AS sd_y
FROM query_table($points)
GROUP BY series
ORDER BY series;
