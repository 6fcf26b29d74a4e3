// Reads the tables of a sweep and of a claim with DuckDB and compares columns,
// units, counts and values with what the summaries beside them and CSV files of the
// same sweep say.
//
//   node check.mjs FOLDER_WITH_PARQUET FOLDER_WITH_CSV CLAIM_FOLDER NOTEBOOKS
//
// DuckDB shares no code with the writer.
import { DuckDBInstance } from '@duckdb/node-api'
import { readFileSync, existsSync } from 'node:fs'
import { join } from 'node:path'

const [parquet, csv, claim, notebooks] = process.argv.slice(2)
const connection = await (await DuckDBInstance.create(':memory:')).connect()
const rows = async (sql) => (await connection.runAndReadAll(sql)).getRowObjects()
let faults = 0
const check = (what, ok, found) => {
  if (!ok) {
    faults++
    console.error(`FAULT ${what}: ${JSON.stringify(found, (_, v) => (typeof v === 'bigint' ? String(v) : v))}`)
  }
}

const endings = [['_bw_m', 'BW·m'], ['_bw', 'BW'], ['_deg', 'deg'], ['_kg', 'kg'], ['_percent', '%'], ['_share', ''], ['_ratio', ''], ['_count', ''], ['_m', 'm']]
const types = { float32: 'FLOAT', int32: 'INTEGER', int64: 'BIGINT', text: 'VARCHAR' }

// describe checks a table's columns against the description in its metadata.
async function describe(path) {
  const metadata = {}
  for (const { key, value } of await rows(`SELECT key::VARCHAR AS key, value::VARCHAR AS value FROM (SELECT decode(key) AS key, decode(value) AS value FROM parquet_kv_metadata('${path}'))`)) metadata[key] = value
  for (const key of ['version', 'study', 'seed', 'data', 'assumptions', 'columns', 'rows']) {
    check(`${path}: metadata counterpoise.${key}`, metadata[`counterpoise.${key}`] !== undefined, Object.keys(metadata))
  }
  const described = JSON.parse(metadata['counterpoise.columns'])
  const found = await rows(`DESCRIBE SELECT * FROM '${path}'`)
  check(`${path}: number of columns`, found.length === described.length, found.length)
  described.forEach((column, i) => {
    check(`${path}: column ${i}`, found[i].column_name === column.name && found[i].column_type === types[column.kind], [found[i], column])
    const ending = endings.find(([end]) => column.name.endsWith(end))
    if (ending) check(`${path}: unit of ${column.name}`, column.unit === ending[1], column.unit)
    else check(`${path}: unit of ${column.name}`, column.unit === '', column.unit)
    check(`${path}: description of ${column.name}`, column.description.length > 3, column.description)
  })
  const [{ n }] = await rows(`SELECT count(*) AS n FROM '${path}'`)
  check(`${path}: rows`, String(n) === metadata['counterpoise.rows'], n)
  return { metadata, described, n: Number(n) }
}

// The sweep.
const table = join(parquet, 'sweep.parquet')
const { metadata, described, n } = await describe(table)
const summary = JSON.parse(readFileSync(join(parquet, 'summary.json'), 'utf8'))
check('rows of the sweep', n === summary.points * summary.statistics.length, n)
check('study', metadata['counterpoise.study'] === JSON.stringify(summary.provenance.study), metadata['counterpoise.study'])
for (const row of await rows(`SELECT statistic, count(*) AS n, count(DISTINCT point) AS points FROM '${table}' GROUP BY 1`)) {
  check(`rows of ${row.statistic}`, summary.statistics.includes(row.statistic) && Number(row.n) === summary.points && Number(row.points) === summary.points, row)
}
for (const demand of summary.demands) {
  const column = described.find((c) => c.name.startsWith(demand.demand) && c.unit === demand.unit)
  const [{ least, greatest }] = await rows(`SELECT min(v) AS least, max(v) AS greatest FROM (SELECT "${column.name}" AS v FROM '${table}' WHERE statistic = '${demand.statistic}' AND NOT isnan("${column.name}"))`)
  check(`least ${demand.demand}`, Math.fround(demand.least.value) === least, [least, demand.least.value])
  check(`greatest ${demand.demand}`, Math.fround(demand.greatest.value) === greatest, [greatest, demand.greatest.value])
}
const text = join(csv, 'sweep.csv')
const casts = described.map((c) => `"${c.name}"::${types[c.kind]} AS "${c.name}"`).join(', ')
const both = (from) => `SELECT ${described.map((c) => (c.kind === 'float32' ? `CASE WHEN isnan("${c.name}") THEN NULL ELSE "${c.name}" END AS "${c.name}"` : `"${c.name}"`)).join(', ')} FROM (${from})`
const a = both(`SELECT * FROM '${table}'`)
const b = both(`SELECT ${casts} FROM read_csv('${text}', header = true, all_varchar = true)`)
const [{ apart }] = await rows(`SELECT count(*) AS apart FROM ((${a} EXCEPT ALL ${b}) UNION ALL (${b} EXCEPT ALL ${a}))`)
check('rows that differ between Parquet and CSV', Number(apart) === 0, apart)

// Every body of the sweep: the quantiles are those of the bodies.
const bodies = join(parquet, 'bodies.parquet')
if (existsSync(bodies)) {
  const every = await describe(bodies)
  check('rows of the bodies', every.n === summary.points * summary.n, every.n)
  for (const demand of summary.demands) {
    const column = described.find((c) => c.name.startsWith(demand.demand) && c.unit === demand.unit).name
    for (const [statistic, of] of [['p50', `quantile_cont("${column}", 0.5)`], ['p5', `quantile_cont("${column}", 0.05)`], ['mean', `avg("${column}")`]]) {
      // A histogram's quantile is off by 2⁻¹¹ at most, float32 by 2⁻²⁴.
      const [{ worst }] = await rows(`SELECT max(abs(x / y - 1)) AS worst FROM
        (SELECT point, ${of} AS x FROM '${bodies}' WHERE possible = 1 GROUP BY point) JOIN
        (SELECT point, "${column}" AS y FROM '${table}' WHERE statistic = '${statistic}') USING (point) WHERE NOT isnan(y)`)
      check(`${statistic} of ${column} from the bodies`, worst <= (statistic === 'mean' ? 1e-6 : 1 / 2048 + 1e-6), worst)
    }
  }
}

// The claim.
const tested = await describe(join(claim, 'bodies.parquet'))
const said = JSON.parse(readFileSync(join(claim, 'summary.json'), 'utf8'))
check('bodies of the claim', tested.n === said.n, tested.n)

// The queries that are shipped, on the samples beside them.
process.chdir(notebooks)
const told = JSON.parse(readFileSync('sample/told.json', 'utf8'))
const answers = []
for (const query of readFileSync('first-queries.sql', 'utf8').replace(/^--.*$/gm, '').split(';')) {
  if (query.trim()) answers.push(await rows(query))
}
check('queries', answers.length === 3, answers.length)
told['longer-arms'].groups.forEach((group, i) => {
  const { n, verdicts } = group.draws
  check(`draws of ${group.people}`, Number(answers[0][i].draws) === n && Math.abs(answers[0][i].supported * n - (verdicts.supported ?? 0)) < 1e-6, answers[0][i])
})
check('bodies of two populations', answers[1].every((row) => Number(row.bodies) === 400 && row.difficulty > 1), answers[1])
check('the grid as a matrix', answers[2].length === 11 && Object.keys(answers[2][0]).length === 10, answers[2][0])

if (faults > 0) process.exit(1)
console.log(`DuckDB reads ${n} rows of the sweep and ${tested.n} of the claim as they were meant`)
