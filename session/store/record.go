package store

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"time"
)

// domain separates these hashes from any other use of SHA-256.
const domain = "springline record 1\n"

// Hash is a chain value.
type Hash [sha256.Size]byte

// String is the value in hex.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// Record is one record of one bench. (Bench, Epoch, Seq) names it for good, on a central server too.
type Record struct {
	Bench  string
	Epoch  int64
	Seq    int64
	Kind   string
	Key    string // the client's own key for this record, empty when it has none
	AtUS   int64  // Unix time in microseconds; orders nothing
	ZoneS  int    // offset of the bench's clock from UTC in seconds
	Body   []byte // JSON text
	Prev   Hash
	Digest Hash
}

// At is the time of the record in the bench's zone.
func (r Record) At() time.Time {
	return time.UnixMicro(r.AtUS).In(time.FixedZone("", r.ZoneS))
}

// Head is the end of the record. The zero Head is an empty record.
type Head struct {
	Bench string
	Epoch int64
	Seq   int64
	Hash  Hash
}

// Seal makes the record that follows head. An epoch other than the head's begins a new chain.
func Seal(head Head, bench string, epoch int64, kind, key string, at time.Time, body []byte) Record {
	_, zone := at.Zone()
	r := Record{
		Bench: bench, Epoch: epoch, Seq: head.Seq + 1, Kind: kind, Key: key,
		AtUS: at.UnixMicro(), ZoneS: zone, Body: body,
	}
	if epoch == head.Epoch {
		r.Prev = head.Hash
	}
	r.Digest = r.hash()
	return r
}

// Head is the head of the record once r is its last.
func (r Record) Head() Head { return Head{Bench: r.Bench, Epoch: r.Epoch, Seq: r.Seq, Hash: r.Digest} }

// hash works the chain value out from Prev and the fields, as doc.go says.
func (r Record) hash() Hash {
	b := make([]byte, 0, 256+len(r.Body))
	b = append(b, domain...)
	b = append(b, r.Prev[:]...)
	b = field(b, r.Bench)
	b = number(b, r.Epoch)
	b = number(b, r.Seq)
	b = field(b, r.Kind)
	b = field(b, r.Key)
	b = number(b, r.AtUS)
	b = number(b, int64(r.ZoneS))
	b = field(b, string(r.Body))
	return sha256.Sum256(b)
}

func field(b []byte, s string) []byte {
	b = strconv.AppendInt(b, int64(len(s)), 10)
	b = append(b, ':')
	b = append(b, s...)
	return append(b, ',')
}

func number(b []byte, n int64) []byte { return field(b, strconv.FormatInt(n, 10)) }
