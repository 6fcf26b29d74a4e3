-- The same tables in DuckDB, from the folder of the notebooks: duckdb < first-queries.sql
-- Where the program wrote Parquet, a path of it stands instead: FROM 'results/sweep.parquet'.

-- How the draws divide, by population (0 men, 1 women).
SELECT people,
       count(*) AS draws,
       avg((as_claimed_share >= 0.95)::INT) AS supported,
       avg((too_small_share >= 0.95)::INT) AS no_difference,
       avg((against_share >= 0.95)::INT) AS contradicted
FROM 'sample/longer-arms.csv.gz' GROUP BY people ORDER BY people;

-- Two populations beside one another.
SELECT people, count(*) AS bodies, median(difficulty_ratio) AS difficulty, quantile_cont(hand_spacing_m, [0.05, 0.5, 0.95]) AS hands_m
FROM 'sample/populations.csv.gz' GROUP BY people ORDER BY people;

-- A grid as a matrix: median force by change of arm length and shoulder breadth.
PIVOT (SELECT change_arm_length_m, change_shoulder_breadth_m, required_force_bw FROM 'sample/grid.csv.gz' WHERE statistic = 'p50')
ON change_shoulder_breadth_m USING first(round(required_force_bw, 3)) ORDER BY change_arm_length_m;

-- What a table of the program says of its columns:
-- SELECT decode(value) FROM parquet_kv_metadata('draws.parquet') WHERE decode(key) = 'counterpoise.columns';
