package provenance

import (
	"crypto/sha256"
	"encoding/hex"
)

// DataHash is one SHA-256, in hexadecimal, of the names and hashes of all data sets
// of the stamp.
func (s Stamp) DataHash() (string, error) {
	text, err := CanonicalJSON(s.Data)
	if err != nil {
		return "", err
	}
	return hashOf(text), nil
}

// StudyHash is the SHA-256, in hexadecimal, of the resolved study.
func (s Stamp) StudyHash() string { return hashOf(s.Study) }

func hashOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
