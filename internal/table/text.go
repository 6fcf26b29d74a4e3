package table

import (
	"strings"

	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/file"
)

// textBatch is how many texts are handed over at a time.
const textBatch = 4096

// writeText writes the texts of a row group.
func writeText(chunk *file.ByteArrayColumnChunkWriter, texts []string) error {
	batch := make([]parquet.ByteArray, min(len(texts), textBatch))
	for len(texts) > 0 {
		n := min(len(texts), textBatch)
		for i, text := range texts[:n] {
			batch[i] = parquet.ByteArray(text)
		}
		if _, err := chunk.WriteBatch(batch[:n], nil, nil); err != nil {
			return err
		}
		texts = texts[n:]
	}
	return nil
}

// readText appends the texts of a chunk to dst. Equal ones share their memory.
func readText(dst []string, rows int, chunk *file.ByteArrayColumnChunkReader) ([]string, error) {
	batch := make([]parquet.ByteArray, textBatch)
	known := map[string]string{}
	for len(dst) < rows && chunk.HasNext() {
		_, got, err := chunk.ReadBatch(int64(min(textBatch, rows-len(dst))), batch, nil, nil)
		for _, text := range batch[:got] {
			shared, ok := known[string(text)]
			if !ok {
				shared = string(text)
				known[shared] = shared
			}
			dst = append(dst, shared)
		}
		if err != nil || got == 0 {
			return dst, err
		}
	}
	return dst, nil
}

// appendField writes a text as a field of comma-separated values (RFC 4180).
func appendField(line []byte, text string) []byte {
	if !strings.ContainsAny(text, ",\"\r\n") {
		return append(line, text...)
	}
	line = append(line, '"')
	line = append(line, strings.ReplaceAll(text, `"`, `""`)...)
	return append(line, '"')
}
