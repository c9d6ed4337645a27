package device

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc/words"
)

// binder knows which port belongs to which gauge. Where only the socket tells two adapters apart it
// lets a reading count by itself only while nothing could have been exchanged.
type binder struct {
	sys port.Sysfs

	mu      sync.Mutex
	gauges  map[string]*binding
	seen    map[port.Identity]bool // adapters like a bound one that were ever listed
	claimed string                 // gauge whose send key is awaited
}

type binding struct {
	id      port.Identity
	device  port.Device      // found last; zero for a plain address
	node    string           // fingerprint of the device when it was found
	socket  bool             // known by its socket only
	sure    string           // plug-in of which it is certain that it is this gauge
	unsure  words.WhichGauge // why the present one is not certain, zero if it is
	learned string           // the plain name under which it was found first, "" if it was bound by identity
}

func newBinder(sys port.Sysfs) *binder {
	return &binder{sys: sys, gauges: map[string]*binding{}, seen: map[port.Identity]bool{}}
}

func (b *binder) add(g Gauge) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.gauges[g.ID] = &binding{id: g.Identity}
}

func (b *binder) remove(id string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.gauges, id)
}

func (b *binder) identity(id string) (port.Identity, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	g, ok := b.gauges[id]
	if !ok || g.id.IsZero() {
		return port.Identity{}, false
	}
	return g.id, true
}

// locate gives the address to open now and why it is not certain that it is this gauge.
func (b *binder) locate(g Gauge) (addr port.Address, unsure words.WhichGauge, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[g.ID]
	if bd == nil {
		return addr, unsure, unknown(g.ID)
	}
	if bd.id.IsZero() {
		if addr, err = port.ParseAddress(g.Address); err == nil {
			bd.node = nodeOf(addr)
		}
		if err != nil || !b.learn(bd, addr) {
			return addr, unsure, err
		}
	}
	list, err := b.sys.List()
	if err != nil {
		return addr, unsure, err
	}
	m, err := port.Resolve(bd.id, list)
	if err != nil {
		bd.device = port.Device{}
		return addr, bd.unsure, bd.named(err)
	}
	bd.device, bd.socket = m.Device, m.BySocket
	addr = port.Address{Kind: port.TTY, Path: m.Device.Path}
	bd.node = nodeOf(addr)
	bd.unsure = b.judge(g.ID, bd, list)
	return addr, bd.unsure, nil
}

// opened notes the device that was opened where it came only after it was looked for: taken for another
// one later, the sound connection would be given up.
func (b *binder) opened(id string, addr port.Address) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if bd := b.gauges[id]; bd != nil && bd.node == "" {
		bd.node = nodeOf(addr)
	}
}

// learn keeps who is behind a kernel's name for a USB port, such as /dev/ttyUSB0, when it is first there:
// the name goes to whoever is plugged in next, the gauge does not. A link made by the system (by-id,
// by-path) says itself what it stands for and is followed. The caller holds mu.
func (b *binder) learn(bd *binding, addr port.Address) bool {
	if addr.Kind != port.TTY {
		return false
	}
	list, err := b.sys.List()
	if err != nil {
		return false
	}
	for _, d := range list {
		if d.Path == addr.Path && d.Identity.Vendor != "" {
			bd.id, bd.device, bd.learned = d.Identity, d, addr.Path
			bd.sure = plugging(d)
			return true
		}
	}
	return false
}

// named adds to the error of a gauge that is not there by which name it was found first.
func (bd *binding) named(err error) error {
	pe, ok := errors.AsType[*port.Error](err)
	if !ok || bd.learned == "" {
		return err
	}
	e := *pe
	e.Do = strings.TrimSpace(e.Do + fmt.Sprintf("; what is at %s now may be another gauge: start the bench again if it is this one "+
		"on another adapter", bd.learned))
	return &e
}

// plugging names one plug-in of one device; "" if the system does not tell.
func plugging(d port.Device) string {
	if d.Plugged == "" {
		return ""
	}
	return d.Identity.Path + " " + d.Plugged
}

// judge decides whether the device just found is certainly the gauge. It is if nothing but the socket
// is needed to tell (no twin is known), if it was never unplugged since it was certain, or if all its
// twins stayed plugged in while it was away. The caller holds mu.
func (b *binder) judge(id string, bd *binding, list []port.Device) (unsure words.WhichGauge) {
	if !bd.socket {
		return unsure
	}
	now := plugging(bd.device)
	if now != "" && now == bd.sure {
		return unsure
	}
	sockets := []string{bd.id.Path}
	stayed := true
	for other, o := range b.gauges {
		if other == id || !o.id.Alike(bd.id) {
			continue
		}
		sockets = append(sockets, o.id.Path)
		stayed = stayed && o.sure != "" && slices.ContainsFunc(list, func(d port.Device) bool {
			return d.Identity.Alike(o.id) && plugging(d) == o.sure
		})
	}
	for _, d := range list {
		if d.Identity.Alike(bd.id) {
			b.seen[d.Identity] = true
		}
	}
	for d := range b.seen {
		if d.Alike(bd.id) && !slices.Contains(sockets, d.Path) {
			stayed = false // a twin that is nobody's gauge
		}
	}
	if stayed {
		bd.sure = now
		return unsure
	}
	return words.WhichGauge{Why: "exchanged", Gauge: id}
}

// still reports that an open port is the right one: the name leads to the same device, plugged in once.
// What cannot be looked up now is no reason to drop a working port.
func (b *binder) still(g Gauge) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[g.ID]
	if bd == nil {
		return false
	}
	if bd.id.IsZero() {
		addr, err := port.ParseAddress(g.Address)
		if err != nil || addr.Kind != port.TTY {
			return true
		}
		now := nodeOf(addr)
		return now == "" || now == bd.node
	}
	list, err := b.sys.List()
	if err != nil {
		return true
	}
	m, err := port.Resolve(bd.id, list)
	return err == nil && m.Device.Name == bd.device.Name && m.Device.Plugged == bd.device.Plugged
}

// fingerprint changes when the gauge's port comes, goes or gets other permissions.
func (b *binder) fingerprint(g Gauge) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[g.ID]
	if bd == nil {
		return ""
	}
	if bd.id.IsZero() {
		addr, err := port.ParseAddress(g.Address)
		if err != nil || addr.Kind != port.TTY {
			return ""
		}
		return nodeOf(addr) + nodeChange(addr)
	}
	list, err := b.sys.List()
	if err != nil {
		return ""
	}
	m, err := port.Resolve(bd.id, list)
	if err != nil {
		return ""
	}
	addr := port.Address{Kind: port.TTY, Path: m.Device.Path}
	return m.Device.Plugged + " " + nodeOf(addr) + nodeChange(addr)
}

// checked is what check found about a sample.
type checked struct {
	sample  *wire.Sample
	unsure  words.WhichGauge
	moved   []string // gauges found in another socket than was thought
	settled []string // gauges that are certain now
}

// check marks a sample whose gauge is not certain, and settles a claim.
func (b *binder) check(id string, in *wire.Sample) checked {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[id]
	if bd == nil {
		return checked{sample: in}
	}
	want := b.gauges[b.claimed]
	switch {
	case want == nil || bd != want && !bd.id.Alike(want.id):
		if bd.unsure.Why == "" {
			return checked{sample: in}
		}
		return checked{sample: with(in, wire.Confirm, FlagWhichGauge), unsure: bd.unsure}
	case bd == want:
		b.claimed = ""
		return checked{sample: with(in, wire.Never, FlagIdentify), settled: b.settle(id, bd)}
	}
	// The claimed gauge answered from this one's socket. Both look for their ports again.
	c := checked{sample: with(in, wire.Never, FlagIdentify), moved: []string{id, b.claimed}}
	b.claimed = ""
	bd.id.Path, want.id.Path = want.id.Path, bd.id.Path
	want.sure, want.unsure = plugging(bd.device), words.WhichGauge{}
	bd.sure, bd.unsure = "", words.WhichGauge{Why: "other-socket"}
	c.unsure = bd.unsure
	return c
}

// with copies a sample, flags it and lets it count no more than most.
func with(in *wire.Sample, most wire.Accept, flag string) *wire.Sample {
	out := *in
	out.Flags = append(slices.Clone(in.Flags), flag)
	if out.Accept != wire.Never {
		out.Accept = most
	}
	return &out
}

func (b *binder) unsure(id string) words.WhichGauge {
	b.mu.Lock()
	defer b.mu.Unlock()
	if bd := b.gauges[id]; bd != nil {
		return bd.unsure
	}
	return words.WhichGauge{}
}

// confirm makes the present port certain and gives the gauges that it settles.
func (b *binder) confirm(id string) ([]string, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[id]
	if bd == nil {
		return nil, unknown(id)
	}
	if !bd.id.IsZero() && bd.device.Name == "" {
		return nil, fmt.Errorf("gauge %q is not plugged in: plug it in first", id)
	}
	return b.settle(id, bd), nil
}

// settle notes that bd is in its present port and looks at its twins again: the last one left over is
// certain too. The caller holds mu.
func (b *binder) settle(id string, bd *binding) []string {
	bd.sure, bd.unsure = plugging(bd.device), words.WhichGauge{}
	settled := []string{id}
	list, err := b.sys.List()
	if err != nil {
		return settled
	}
	for other, o := range b.gauges {
		if o == bd || o.unsure.Why == "" || o.device.Name == "" || !o.id.Alike(bd.id) {
			continue
		}
		if o.unsure = b.judge(other, o, list); o.unsure.Why == "" {
			settled = append(settled, other)
		}
	}
	return settled
}

func (b *binder) claim(id string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	bd := b.gauges[id]
	if bd == nil {
		return unknown(id)
	}
	if bd.id.IsZero() {
		return fmt.Errorf("gauge %q is bound to an address, not to an adapter: there is nothing to tell apart", id)
	}
	b.claimed = id
	return nil
}
