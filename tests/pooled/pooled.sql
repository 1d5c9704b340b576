-- Many nurseries in one place, for DuckDB. Beside this folder `pool` lie NAME.jsonl of every nursery (`nurserytui export NAME.jsonl
-- --locations coarse`) and a folder NAME with what was in its NAME.zip. Ids are unique within a nursery only, so everything goes by both.

CREATE TABLE written AS
SELECT parse_filename(filename, true) AS nursery, event.*
FROM read_json('pool/*.jsonl', format = 'newline_delimited', filename = true, columns = {event: 'STRUCT(
    "when" VARCHAR, what VARCHAR, cohort VARCHAR, mark VARCHAR, species VARCHAR, stage VARCHAR, instar INTEGER, count VARCHAR,
    enclosure VARCHAR, "to" VARCHAR, host VARCHAR, detail VARCHAR, note VARCHAR, id VARCHAR, withdraws VARCHAR, "by" VARCHAR,
    place VARCHAR, latitude DOUBLE, longitude DOUBLE, parent VARCHAR)'})
WHERE event IS NOT NULL;

-- What stands. An estimate is written "~80"; a row about one marked animal may leave the number out.
CREATE VIEW events AS
SELECT *, coalesce(CAST(ltrim(count, '~') AS INTEGER), 1) AS animals
FROM written AS one
WHERE what <> 'withdrawn' AND NOT EXISTS (FROM written AS other WHERE other.nursery = one.nursery AND other.withdraws = one.id);

-- The species of every label that a cohort ever had: labels come from others by `split` and `renamed`.
CREATE TABLE labels AS
WITH RECURSIVE named(nursery, label, species) AS (
    SELECT nursery, cohort, species FROM events WHERE what IN ('laid', 'found')
    UNION
    SELECT passed.nursery, passed."to", named.species
    FROM events AS passed JOIN named ON passed.nursery = named.nursery AND passed.cohort = named.label
    WHERE passed.what IN ('split', 'renamed')
)
SELECT * FROM named;

-- Of the archives: what was found in the wild, and what became of it.
CREATE VIEW finds AS
SELECT parse_path(filename)[-2] AS nursery, * EXCLUDE (filename)
FROM read_csv('pool/*/occurrence.csv', header = true, all_varchar = true, filename = true);

CREATE VIEW fates AS
SELECT parse_path(filename)[-2] AS nursery, * EXCLUDE (filename)
FROM read_csv('pool/*/event.csv', header = true, all_varchar = true, filename = true);

-- survival: of each species, the animals that left the nurseries as adults and those that died before.
SELECT labels.species,
    sum(animals) FILTER (stage = 'adult') AS grown,
    coalesce(sum(animals) FILTER (stage <> 'adult' AND what = 'died'), 0) AS died,
    round(grown / (grown + died), 4) AS share,
    count(DISTINCT nursery) AS nurseries
FROM events JOIN labels USING (nursery) WHERE labels.label = events.cohort AND what IN ('released', 'given', 'escaped', 'died')
GROUP BY labels.species ORDER BY labels.species;

-- causes: what animals died of, most first.
SELECT detail AS cause, sum(animals) AS animals, count(DISTINCT nursery) AS nurseries
FROM events WHERE what = 'died' AND detail <> ''
GROUP BY cause ORDER BY animals DESC, cause;

-- emergence: the first day of each year on which a species came out of the pupa, by the archives.
SELECT scientificName AS species, left(fates.eventDate, 4) AS year, min(left(fates.eventDate, 10)) AS first
FROM fates JOIN finds USING (nursery) WHERE finds.occurrenceID = fates.occurrenceID AND eventType = 'emergence'
GROUP BY species, year ORDER BY species, year;

-- places: how many animals were found in each tenth of a degree.
SELECT decimalLatitude AS latitude, decimalLongitude AS longitude, sum(CAST(individualCount AS INTEGER)) AS animals
FROM finds GROUP BY latitude, longitude ORDER BY latitude, longitude;
