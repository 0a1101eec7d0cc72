//! stub
use crate::futures::Path; use crate::series::Series; use crate::trend::Trend; use jiff::civil::Date;
/// g
#[derive(Debug, Clone)]
pub struct Generator;
impl Generator {
 /// f
 #[must_use] pub fn fit(_s:&Series,_b:i16,_a:&Trend,_c:&Trend)->Option<Generator>{None}
 /// f
 #[must_use] pub fn day_to_day(&self)->f64{0.0}
 /// f
 #[must_use] pub fn paths(&self,_p:&Series,_on:Date,_t:(&Trend,&Trend),_d:usize,_n:usize,_seed:u64)->Vec<Path>{Vec::new()}
}
