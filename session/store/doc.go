// Package store is the record: one SQLite file that is only ever appended to, hash-chained. Tables beside it
// hold rows made from the record on demand, for those who read with SQL.
//
// It leaves to others what a record means: bodies are opaque JSON text here, and the rows are written by
// whoever understands them.
//
// # The chain
//
// A record is (bench, epoch, seq, kind, key, at_us, zone_s, body). Seq counts from 1 without gaps over
// all epochs of a bench; each epoch has its own chain, beginning from 32 zero bytes. The chain value is
//
//	h = SHA-256( "springline record 1\n" || h of the record before || fields )
//
// where fields are, in this order, bench, epoch, seq, kind, key, at_us, zone_s and body, each written
// as its length in bytes in decimal, a colon, the bytes, a comma (so that no two records share a
// spelling). Numbers are decimal ASCII, a minus sign in front when negative, no leading zeros; texts
// are UTF-8 as stored; a record without a client key has the empty key. at_us is Unix time in
// microseconds, zone_s the offset of the bench's clock from UTC in seconds, east positive.
//
// # Durability
//
// An append returns after SQLite has synced the write-ahead log (synchronous=FULL): what was
// acknowledged survives a power cut on a disk that honours flush. After the first failed commit the
// store takes nothing more until it is opened again, since a sync that failed once may falsely succeed
// when repeated.
package store
